/** Gas and air. */
import "/static/live_page.js";
