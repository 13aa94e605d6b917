"""Jobs put aside and taken up again, and the question before anything is given up."""
