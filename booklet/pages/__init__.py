"""Stage 7: drawings and words become page values."""
