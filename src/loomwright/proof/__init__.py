"""What people hold while they build and prove: lists that are read off a plan, in words and numbers."""
