/** Purge. */
import "/static/live_page.js";
