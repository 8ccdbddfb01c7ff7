"""Stage 5: pieces meet sheets, supplies and money."""
