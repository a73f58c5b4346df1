"""Flags: the two labels of every wire that somebody makes or plugs in, on sheets of labels or paper."""
