"""What is owned: typed models of the files, links between them, and checks of names across files."""
