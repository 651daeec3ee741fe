"""What a rig does when its seldom-measured numbers are drawn over their plausible ranges."""
