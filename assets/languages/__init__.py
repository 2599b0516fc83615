"""The words of the screens in each language: a .po to write in, a .mo that is read."""
