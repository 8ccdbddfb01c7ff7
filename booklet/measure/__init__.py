"""Stage 2: the text of lengths becomes exact numbers."""
