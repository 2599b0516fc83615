"""Ways to every state of every screen, for pictures and for the tests of fit: one function a state."""
