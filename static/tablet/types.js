/**
 * What the modules hand each other. Types only: nothing here runs.
 *
 * A job bundle is described in docs/schemas/job-bundle.1.json, what a tablet sends in the API's own description.
 *
 * @typedef {"pass" | "fail" | "unknown" | "recorded"} Verdict
 * @typedef {"imperial" | "metric"} System
 *
 * @typedef {"danger" | "correct" | "advice"} Severity
 *
 * @typedef {object} Limit
 * @property {number | null} minimum In the unit below, as calcs has it (SI)
 * @property {number | null} maximum
 * @property {string} unit
 *
 * @typedef {object} Option
 * @property {string} key
 * @property {string} words
 * @property {boolean} fails
 * @property {Severity | ""} severity "": the item's
 * @property {boolean} [silent] It judges nothing, neither pass nor fail; not told by older servers
 *
 * @typedef {object} Condition
 * @property {string} item
 * @property {string} outcome "" | "pass" | "fail"
 * @property {string[]} chosen
 *
 * @typedef {object} LastTime
 * @property {string} words "" where it was a photo
 * @property {string} day In words
 * @property {Verdict} verdict
 * @property {{id: number, thumbnail: string, picture: string} | null} photo
 *
 * @typedef {object} Item
 * @property {string} key
 * @property {"confirm" | "measure" | "photo" | "choose" | "note"} kind
 * @property {string} ask
 * @property {string} how
 * @property {boolean} required
 * @property {boolean} as_found A fail is recorded, but is no defect
 * @property {string} quantity "" unless a measure
 * @property {boolean} measures Whether the item is held to a limit by name
 * @property {Limit | null} limit null: no limit is known
 * @property {string} limit_words Such as "at least 2 in"
 * @property {string} source_words
 * @property {Option[]} options
 * @property {Condition | null} when
 * @property {[string, string][]} keys What is on a key beside the field, what it writes
 * @property {string} hint
 * @property {"decimal" | "numeric" | "text"} input_mode
 * @property {Severity} severity How grave the defect is that a failing answer opens
 * @property {LastTime | null} [last] What was found the last time; not told by older servers
 *
 * @typedef {object} StageReturn
 * @property {string} by
 * @property {string} at
 * @property {string} reason
 *
 * @typedef {object} Stage
 * @property {string} key
 * @property {string} title
 * @property {boolean} hold
 * @property {string[]} cautions
 * @property {string[]} plan_says
 * @property {Item[]} items Those the facts of the job ask for; `when` is decided on the device
 * @property {{by: string, at: string} | null} signed
 * @property {StageReturn[]} returns
 *
 * @typedef {object} Answer
 * @property {string} entry UUID
 * @property {string} stage
 * @property {string} item
 * @property {string} kind
 * @property {string} text As typed
 * @property {number | null} value
 * @property {Verdict} verdict
 * @property {string} said In words, in the units of the site
 * @property {string} margin In words
 * @property {string} by
 * @property {string} received_at
 * @property {{id: number, thumbnail: string, picture: string} | null} photo
 *
 * @typedef {object} Waiver
 * @property {string} by
 * @property {string} at
 * @property {string} authority
 * @property {string} reason
 *
 * @typedef {object} Defect
 * @property {number} id
 * @property {string} stage
 * @property {string} item
 * @property {string} description
 * @property {boolean} open
 * @property {boolean} raised_alone
 * @property {string} by
 * @property {string} at
 * @property {Waiver | null} waiver
 * @property {Severity} severity What counts
 * @property {string} place
 * @property {string} rule The rule it breaks, in words; "" where none is known
 * @property {boolean} came_for Whether the job came to put it right
 * @property {Item[]} items By which one the job came for is put right; [] where the device knows them itself
 * @property {{id: number, thumbnail: string, picture: string}[]} photos As found on the job it was carried from
 *
 * @typedef {object} LateEntry
 * @property {string} entry
 * @property {string} stage
 * @property {string} item
 * @property {string} words What was sent, in words
 * @property {string} why Why it is late
 * @property {string} by
 * @property {string} received_at
 * @property {boolean} looked_at
 *
 * @typedef {object} Plan
 * @property {number} revision
 * @property {string} drawing SVG
 * @property {string[]} findings
 * @property {{name: string, note: string, stock: string, count: number, length: string}[]} cut_list
 * @property {{name: string, note: string, count: number, width: string, left: string, right: string, bevel: string}[]} panels
 * @property {{name: string, count: string, note: string}[]} load_list
 *
 * @typedef {object} Visit
 * @property {string} starts_at
 * @property {string} ends_at
 * @property {string} crew
 * @property {string} note
 *
 * @typedef {object} Bundle
 * @property {1} schema
 * @property {string} made_at Server time, ISO
 * @property {{id: number, number: string, kind: string, status: string, status_words: string}} job
 * @property {{customer: string, phone: string, address: string[], system: System, time_zone: string, access_notes: string, hazard_notes: string}} site
 * @property {Visit[]} visits
 * @property {{begin: boolean, work: boolean, report: boolean, sign_off: boolean}} may
 * @property {string} refusal Why the work cannot begin; "" where it can or has
 * @property {string[]} cautions
 * @property {boolean} may_carry Whether a defect found here may stay open and be carried on
 * @property {string[]} do_not_use Open dangers found on other jobs at the stove
 * @property {{title: string, version: number}} checklist
 * @property {{begun_at: string, begun_by: string} | null} record null: site work has not begun
 * @property {Stage[]} stages
 * @property {Answer[]} answers Oldest first, all of them: the last one of an item counts
 * @property {Defect[]} defects Oldest first
 * @property {LateEntry[]} late
 * @property {{by: string, at: string} | null} signed_off
 * @property {Plan | null} plan
 *
 * @typedef {object} KeptBundle
 * @property {number} job
 * @property {string} fetched_at Device time, ISO
 * @property {string} etag
 * @property {Bundle} bundle
 *
 * @typedef {object} SignatureInk
 * @property {number[][][]} strokes [[[x, y], ...], ...]
 * @property {number} width
 * @property {number} height
 * @property {string} name
 *
 * @typedef {"begin" | "answer" | "photo" | "signature" | "defect" | "sign_off"} EntryKind
 *
 * @typedef {object} Entry What a person entered; on the device until the server has acknowledged it
 * @property {1 | 2} version The app's that made it: version 1 told neither `saw` nor `verdict`
 * @property {string} entry UUID
 * @property {number} seq Counts up on this device
 * @property {number} job
 * @property {EntryKind} kind
 * @property {string} stage "" for begin and sign_off
 * @property {string} item "" where there is none
 * @property {string} text Answer as typed, description of a defect, remarks of a sign-off
 * @property {Severity | ""} [severity] How grave a defect is; not there in what an older app made
 * @property {string} [place] Where it is
 * @property {string | null} saw Entry of the answer that stood when this was entered
 * @property {string} knew `made_at` of the bundle this was entered on; "" where it is not told
 * @property {Verdict | ""} verdict The device's
 * @property {string} taken_at Device time, ISO with offset
 * @property {SignatureInk | null} signature
 * @property {{sha256: string, size: number, media_type: string} | null} photo
 * @property {"waiting" | "refused"} state
 * @property {{code: string, sentence: string} | null} refusal
 * @property {number} attempts
 *
 * @typedef {object} Receipt What the server said of an entry; kept until a bundle holds the entry
 * @property {string} entry
 * @property {number} job
 * @property {Entry} sent
 * @property {"accepted" | "late"} outcome
 * @property {string} code
 * @property {string} sentence
 * @property {Verdict | ""} verdict
 * @property {boolean} differs
 * @property {string} said
 * @property {string} margin
 * @property {string} received_at Server time
 *
 * @typedef {object} Person
 * @property {number} id
 * @property {string} name
 * @property {"owner" | "office" | "installer" | "inspector"} role
 */

export {};
