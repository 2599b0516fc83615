"""What if, without a project."""
