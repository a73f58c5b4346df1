"""`loomwright hunt`: what was seen, what may be wrong, what to look at next."""
