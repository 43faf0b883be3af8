package engine

// A Doc is what a name means, as its source says it.
type Doc struct {
	Text     string `json:"text"`               // the meaning, its first sentence first
	Sign     string `json:"sign,omitempty"`     // parameters by name, where the types alone say too little
	Equation string `json:"equation,omitempty"` // how it is computed
	Unit     string `json:"unit,omitempty"`
	Range    string `json:"range,omitempty"` // what the model holds for
	Source   string `json:"source,omitempty"`
	Example  string `json:"example,omitempty"` // a line that can be typed
}
