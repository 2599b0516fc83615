"""A damaged project: what it still proves, named, and a new project made of that."""
