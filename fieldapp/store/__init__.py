"""Where it is kept: the journal in SQLite, its read tables, pictures and backups of a project folder.

Entries are only ever added.  Everything else in the folder can be made again from them and the pictures.
"""
