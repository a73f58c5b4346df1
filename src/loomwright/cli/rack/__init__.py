"""The verbs of `loomwright rack`, a file each."""
