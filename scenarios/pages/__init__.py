"""The page for everyone: HTML made from finished results; its look lies beside as `page.css`, its live part in `live`."""
