"""The page for everyone: HTML made from finished results; look and script lie beside as `page.css` and `player.js`."""
