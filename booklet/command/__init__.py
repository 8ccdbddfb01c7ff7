"""The commands that a person types."""
