"""The day of the rack: its nouns, its simulator, the plain rules, slips; pure, and without a search."""
