// Package paper draws what leaves a printer: the batch sheet (Sheet) and
// sheets of labels (Labels), both PDF. Start with BatchSheet and LabelSheet.
//
// It draws from plain data and judges nothing: what a caller leaves empty is
// printed as "not entered", not guessed. The same data gives the same bytes on
// every machine and at any time: the date inside the file comes from the data.
//
// Text in Latin, Greek, Cyrillic and Hebrew needs nothing. For other scripts
// the caller names font files (TrueType outlines), and a letter that none of
// them has is a *LetterError: no empty box is ever printed. Scripts whose
// letters must be reshaped beyond the joining of Arabic, such as Devanagari,
// are refused the same way.
//
// All sizes are in millimetres, from the top left of a page, unless a name says
// otherwise; type is in points.
package paper
