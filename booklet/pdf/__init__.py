"""Stage 8: page values become a file."""
