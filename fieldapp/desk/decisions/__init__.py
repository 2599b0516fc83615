"""What people decide: sign the log, release or hold concrete, state the credit; and what they read before."""
