"""Who says so: people, keys, certificates, signatures.

Importing this package loads nothing heavy.  The signing libraries come in with the module that uses
them, so a caller imports `keys`, `certificates` or `pdf_signing` when a person is about to sign.
"""
