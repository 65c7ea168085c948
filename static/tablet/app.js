/** Opens the app on this tablet. */
import { keepApp } from "#tablet/install.js";

keepApp();
