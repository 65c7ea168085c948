/**
 * What a record looks like on the device. Types only: nothing here runs.
 *
 * @import {Answer, Item, Severity, StageReturn, Verdict, Waiver} from "#tablet/types.js"
 * @import {Gauge} from "#tablet/gauge.js"
 *
 * @typedef {"here" | "sent" | "server" | "refused" | "late"} Where "here": only on this tablet
 *
 * @typedef {object} AnswerView One answer in words
 * @property {string} entry UUID
 * @property {string} stage
 * @property {string} item
 * @property {string} text As typed
 * @property {number | null} value In SI
 * @property {Verdict | ""} verdict The server's where it gave one; "" of an entry that was not understood
 * @property {string} said
 * @property {string} margin
 * @property {string} by
 * @property {string} at Device time while it is only here, server time after that
 * @property {Answer["photo"]} photo On the server
 * @property {boolean} hasPhoto Whether there is one, here or on the server
 * @property {Where} where
 * @property {boolean} differs Whether the server came to another verdict than this tablet
 * @property {string} sentence What the server said of it, or why it does not count
 *
 * @typedef {object} DefectView
 * @property {number | null} id null while it is only here
 * @property {string} stage
 * @property {string} item
 * @property {string} description
 * @property {boolean} open
 * @property {boolean} raised_alone
 * @property {string} by
 * @property {string} at
 * @property {Waiver | null} waiver
 * @property {Severity} severity
 * @property {string} place
 * @property {string} rule
 * @property {boolean} came_for
 * @property {Item[]} items
 * @property {import("#tablet/types.js").Defect["photos"]} photos
 * @property {Where} where
 *
 * @typedef {object} ItemView
 * @property {string} key
 * @property {Item} item
 * @property {boolean} required
 * @property {AnswerView | null} answer The one that counts
 * @property {AnswerView[]} history What does not count, newest first, refused and late ones in front
 * @property {DefectView | null} defect The one that stands open
 * @property {Waiver | null} waiver The one that covers the answer
 * @property {boolean} settled Whether nothing of this item stands in the way of signing
 * @property {Gauge | null} gauge
 * @property {string | null} stands Entry of the answer that counts: what a new entry has seen
 *
 * @typedef {{by: string, at: string, where: Where}} Signing
 *
 * @typedef {object} StageView
 * @property {string} key
 * @property {string} title
 * @property {number} number
 * @property {boolean} hold
 * @property {string[]} cautions
 * @property {string[]} plan_says
 * @property {ItemView[]} items
 * @property {string[]} missing Sentences: what keeps this stage from being signed
 * @property {DefectView[]} openDefects
 * @property {string} lockedBy Title of the earlier hold point that must be signed first; "" when none
 * @property {boolean} canSign
 * @property {Signing | null} signed
 * @property {number} answered How many items are settled
 * @property {"signed" | "ready to sign" | "defect open" | "under way" | "locked" | "not begun"} state
 * @property {StageReturn[]} returns
 *
 * @typedef {object} RecordView
 * @property {boolean} begun On the server or here
 * @property {boolean} locally_begun Only here
 * @property {boolean} all_signed
 * @property {StageView[]} stages
 * @property {string[]} missing Sentences with the stage's title in front: what keeps the job from being signed off
 * @property {DefectView[]} openDefects
 * @property {Signing | null} signedOff
 */

export {};
