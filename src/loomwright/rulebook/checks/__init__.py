"""What rules can ask of a plan, a file for each subject."""
