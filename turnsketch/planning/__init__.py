"""One module per operation, the fold over the remaining blank, the proposed list."""
