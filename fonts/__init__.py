"""The type that PDFs embed, unchanged, with the licence of each family beside it."""
