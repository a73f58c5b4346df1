"""The engine of a match: the machine as arrays, a kernel that plays many matches side by side, and its results."""
