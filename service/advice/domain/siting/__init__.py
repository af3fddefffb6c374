"""Where to put the outlet: from a drawing of the drive to the place on a wall from which every car is reached."""
