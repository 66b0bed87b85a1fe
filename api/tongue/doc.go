// Package tongue says in other languages what the interface says in English. As with
// gettext, the English is the key; but a message is translated where it is shown, from
// the finished text backwards: the formats of a catalogue are matched against it, what
// was put in is taken out again, and put into the translation. So whatever says
// something keeps its English, and what was stored years ago is translated too.
//
// A file is a language: "messages" has the format in English, as fmt has it, and the
// translation, where {1} is the first value. A value that is itself a known text, or a
// list of such, is translated, a number or a moment is written as the language does,
// and anything else stays. Besides:
//
//   - {=1} is a name: it stays as it is.
//   - {!1} is a known text, a number or a moment: where it is none, the message is not
//     of this format. Formats with few words of their own need that.
package tongue
