"""Facts in and out of plain files: a folder of CSV sheets or one XLSX workbook."""
