"""What all pages on paper share: the style that prints, tables that do not break badly, drawings as vectors in black ink."""
