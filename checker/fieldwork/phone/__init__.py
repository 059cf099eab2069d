"""The page for the roof: one HTML file that asks, judges and keeps a job on a phone, without a network.

`page` puts it together and `site` writes it as a folder for a web host, with what a phone needs to install it; `icons` draws its
picture. `source/` holds the page's own modules in JavaScript, typed by comments, and `built/page.js` all of them in one file:
`npm ci && npm run check && npm run build` in `checker/judging/javascript` checks and builds both. What judges in the page is
`checker.judging.javascript`. It stands in this room because it is what a crew holds in hand, as the interview and the sheet are.
"""
