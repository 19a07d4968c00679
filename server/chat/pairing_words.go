package chat

// pairingWords are short words of the trade, easy to say across a yard; there
// are 128 of them, no two alike in sound.
var pairingWords = [128]string{
	"anvil", "apron", "axle", "badge", "barrel", "basin", "beacon", "bearing", "bellows", "bench", "bevel", "bobbin", "bolt", "bonnet", "bracket", "brass",
	"bridge", "brush", "bucket", "buffer", "bulb", "bumper", "bushing", "button", "cable", "canvas", "carbon", "castle", "chain", "chalk", "chisel", "choke",
	"circlip", "clutch", "coil", "collar", "column", "compass", "copper", "cotter", "crank", "cradle", "damper", "decal", "dipper", "dowel", "drawbar", "drill",
	"dynamo", "elbow", "engine", "feeler", "fender", "ferrule", "fiddle", "filter", "flange", "flywheel", "forge", "funnel", "garage", "gasket", "girder", "glove",
	"grease", "grommet", "hammer", "handle", "hinge", "hollow", "hopper", "hubcap", "idler", "indigo", "jacket", "jubilee", "kettle", "keyway", "ladder", "lantern",
	"lever", "linen", "magnet", "mallet", "manifold", "marker", "mirror", "mitre", "needle", "nickel", "nozzle", "nutmeg", "oilcan", "orange", "padlock", "paddle",
	"pedal", "pencil", "pinion", "piston", "plunger", "pulley", "quarter", "rafter", "ratchet", "ribbon", "rivet", "rocker", "rubber", "saddle", "scraper", "shackle",
	"silver", "socket", "spanner", "spindle", "sprocket", "tappet", "thimble", "timber", "torque", "trolley", "turnbuckle", "upright", "valve", "vernier", "washer", "yellow",
}
