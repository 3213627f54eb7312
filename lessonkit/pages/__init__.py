"""From a lesson to pages: style, block drawings and page breaks. The screen and the paper get the same pages."""
