"""What is shown to others: films, the page, the picture to post, the window."""
