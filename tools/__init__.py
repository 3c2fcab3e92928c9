"""Programs that maintain the repository; none of them ships."""
