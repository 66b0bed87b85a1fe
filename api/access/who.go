package access

// who may ask for a route. The zero value is the strictest that lets anybody in from
// elsewhere: what stands in no row is for the machine itself and its devices.
type who byte

const (
	devices who = iota // the machine itself and devices
	local              // the machine itself alone
	judges             // judges too
	anyone             // everybody
	pairing            // whoever has a key to pair a device at the end of the address
	judging            // whoever has a judge's key there
)

// Routes that packages serve and this one knows, as the router writes them.
const (
	// PairPage is a link that pairs a device.
	PairPage = "/pair/:key"
	// DevicesPage is where devices are paired and sent away.
	DevicesPage = "/devices"
	// DevicePage is what a device knows of itself, and where it ends its session.
	DevicePage = "/device"
	// JudgePage is a judge's link.
	JudgePage = "/judge/:key"
	// JudgingPage is where a judge sees codes and hands in.
	JudgingPage = "/judging"
)

// rows are the routes that are not for devices and the machine itself alone.
var rows = map[string]who{
	"/healthz":             anyone,
	PairPage:               pairing,
	DevicesPage:            local,
	DevicesPage + "/*path": local,
	JudgePage:              judging,
	JudgingPage:            judges,
	"/v1/judging":          judges,
	"/assets/*path":        judges,
	"/favicon.ico":         judges,
}
