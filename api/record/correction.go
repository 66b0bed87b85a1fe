package record

// Correction is a cell of a file that a person mended before the file was brought
// in, or a row of it that was left out on purpose. The file is kept as it came.
type Correction struct {
	Row      int     `json:"row" minimum:"1" doc:"Row of the table in the file, counted from 1: the line, or the sheet's row."`
	Column   string  `json:"column,omitempty" doc:"Header of the column as it stands in the file; column C for the third where it has none or shares it. Left out with leave_out."`
	From     *string `json:"from,omitempty" doc:"What the cell holds in the file, or the row that is left out. Given for a cell with a request, the correction is refused where the cell holds something else."`
	To       *string `json:"to,omitempty" doc:"What it is read as instead; empty for nothing. Left out with leave_out."`
	LeaveOut bool    `json:"leave_out,omitempty" doc:"True for a row that is left out on purpose."`
}
