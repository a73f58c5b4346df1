"""The rows that every paper shares: circuits, wires, ends, bundles, cuts and the rest."""
