"""What a person types: the commands, their words on the screen, and their exit codes."""
