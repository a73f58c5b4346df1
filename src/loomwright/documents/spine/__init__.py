"""The Spine: the power path on one sheet, a row for each slot."""
