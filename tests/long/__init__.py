"""Long runs: each a module with a `main`, run by hand or overnight; pytest runs the same with few jobs."""
