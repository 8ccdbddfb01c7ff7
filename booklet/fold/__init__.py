"""Stage 4: panels and angles become shapes in space, and proofs about them."""
