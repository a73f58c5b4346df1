"""Solving: joints taken together, then nodal analysis node by node."""
