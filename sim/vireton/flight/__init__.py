"""One flight: arrow and air packed for the kernel, the aim that sights it in, its small swing."""
