"""What there is on the farm and what happened: frozen records and closed lists, standard library only."""
