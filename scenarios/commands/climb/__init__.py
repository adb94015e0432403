"""Commands: standing and crawling."""
