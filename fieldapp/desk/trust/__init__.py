"""Who says so: people, keys, certificates, signed chains, what is taken over from elsewhere, the audit."""
