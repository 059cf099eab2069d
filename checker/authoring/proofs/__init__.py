"""What holds of rules on every job, proved and not tried: `prover` puts it together, `encoding` knows the solver."""
