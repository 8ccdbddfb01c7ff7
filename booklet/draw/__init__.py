"""Stage 6: drawings as values, in millimetres."""
