"""The robot's files as people write them: YAML in, the nouns of the model out."""
