"""Projects: begin one, find those known here, adopt and edit the acceptance set."""
