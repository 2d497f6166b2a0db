/* Pages with a box to type into: nothing is fetched but what the build listed. */

import { codeBox } from "./search/codebox.js";
import { searchBox } from "./search/searchbox.js";
import { all } from "./show/dom.js";

all(HTMLFormElement, "form.search").forEach(searchBox);
all(HTMLFormElement, "form.code").forEach(codeBox);
