"""Standing and crawling: one grade, all grades, many vehicles, free motions."""
