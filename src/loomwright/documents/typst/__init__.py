"""Pages by typst: scenes as its code, and the way from its code to a PDF."""
