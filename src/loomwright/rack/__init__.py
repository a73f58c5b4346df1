"""The rack of batteries: what each is worth, which one for which match, which charger when."""
