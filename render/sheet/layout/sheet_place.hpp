// Where everything of one strip stands: columns, and in each column nodes one above the other. A label is a
// node, and so is every column that a line merely passes, so nothing can lie on anything else.
#pragma once
#include <algorithm>
#include <map>
#include <vector>

#include "render/sheet/model/sheet_model.hpp"
#include "render/sheet/model/sheet_style.hpp"
#include "render/svg/canvas.hpp"

namespace loomward::sheet {

enum class NodeType : std::uint8_t { element, landing, label, pass };

// One end of a line at a node; `y` counts from the top of the node.
struct Landing {
    int line = -1;
    bool at_from = false;
    Side side = Side::left;
    double y = 0;
};
// A short dark bar that several landings of one pin share.
struct Stretch {
    Side side = Side::left;
    double top = 0, bottom = 0;
};
// A pin of a box on one of its faces.
struct PinRow {
    int pin = 0;
    Side side = Side::left;
    double top = 0, bottom = 0;
    double end = 0;  // radius of the largest circle at its landings
};
// Radius of the open circle where a line ends.
double end_radius(const Line& line);

// A row of text with what is printed on a part, or with its label.
struct TextRow {
    std::string text;
    double size = 0;
    bool soft = false;
};
void add_rows(std::vector<TextRow>& rows, std::string_view text, bool is_label, double limit);
double widest(const std::vector<TextRow>& rows);

struct Node {
    NodeType type{};
    int element = -1;  // element, landing
    int line = -1;     // label, pass
    int column = 0;    // parts stand in even columns, labels in odd ones
    int cluster = -1;  // the bar it belongs to
    double width = 0, height = 0;
    double x = 0, y = 0;  // top left, set by heights and by the route
    // Kept free around it for the guests that touch it.
    double pad_left = 0, pad_top = 0, pad_right = 0, pad_bottom = 0;
    int carrier = -1;                       // of a guest: the node of its host, which it moves with
    double carrier_dx = 0, carrier_dy = 0;  // from the top left of its host's node
    double row = 0;                         // the line of a label or pass, the main row of a symbol
    double coil_row = -1;
    double up = 0, down = 0;    // of a symbol: what is kept clear above and below its main row
    std::vector<Box> links;     // joints to what it touches: heavy lines, from its top left
    std::vector<Box> leads;     // of the part itself, from its top left
    bool texts_below = false;   // of a guest
    double text_middle = 0;     // of what is written at a symbol, from the middle of the symbol
    double shift = 0;           // of a seated fuse: symbol right of the middle, room for the bar;
                                // of a stub's pennant: room for the arrow head
    bool flipped = false;       // first pin at the right
    bool first = false;         // topmost contact of its connector: carries the heading
    double flags = 0;           // of a landing: height kept above its row for the flags of its bar
    std::string beside;         // rating in the row of the name
    std::vector<TextRow> rows;  // under the name: above a symbol, or at the top of a box
    double square = -1;         // of a box: top of its inner symbol
    std::vector<Landing> landings;
    std::vector<Stretch> stretches;
    std::vector<Landing> unders;  // landings that reach their pin under the symbol; `side` is the pin's
    std::vector<PinRow> pin_rows;
};

// A piece of a line between neighbouring columns.
struct Link {
    int line = -1;
    int left = 0, right = 0;         // nodes
    double left_y = 0, right_y = 0;  // from the top of the node
};

// A line as laid out: its nodes from the left end to the right end.
struct Run {
    int line = -1;
    bool left_is_from = true;
    bool turns = false;  // both ends on the same side: out to the turn's column and back
    Side turn_side = Side::right;
    std::vector<int> nodes;  // first and last are elements or landings; a turn has {A, label, pass, B}
    std::vector<int> links;  // into Layout::links, in the same order (a turn has two)
    int label = -1;          // its label node; -1 for a bolted joint
};

struct Layout {
    const SheetModel* model = nullptr;
    std::vector<int> lines;  // of the strip
    std::vector<Node> nodes;
    std::vector<Link> links;
    std::vector<Run> runs;  // one a line, in the order of `lines`
    // Set by `route`.
    std::vector<std::vector<Point>> paths;  // by run
    std::map<int, double> bars;             // where each bar stands, by its element
    double width = 0, top = 0, bottom = 0;
    double height() const { return bottom - top; }
    int body_of(int index) const {
        const int carrier = nodes[static_cast<std::size_t>(index)].carrier;
        return carrier >= 0 ? carrier : index;
    }
    // Guests follow their hosts.
    void move_guests();
    const Element& element(const Node& node) const {
        return model->elements[static_cast<std::size_t>(node.element)];
    }
    const Line& line(int index) const { return model->lines[static_cast<std::size_t>(index)]; }
    Node& node(int index) { return nodes[static_cast<std::size_t>(index)]; }
    const Node& node(int index) const { return nodes[static_cast<std::size_t>(index)]; }
    // Does current run against the drawing direction at the label?
    bool arrow_leftward(const Run& run) const;
    // Is the `from` end of a stub its pennant?
    bool stub_begins_at_from(const Run& run) const {
        return model->elements[static_cast<std::size_t>(line(run.line).from.element)].form == Form::pennant;
    }
};

struct PlaceOptions {
    double gap = node_gap;   // between neighbours of a column
    bool compact = false;    // boxes no taller than their pins need
    bool thorough = true;    // try variants; else only good enough to know the size
    bool few_tries = false;  // of a large sheet: fewer variants
};

// Lays out one strip: columns, then heights a few times, each time with what the last one taught; the best
// wins. The routes of the winner are set. Never fails: where Graphviz does, nodes are stacked in source
// order.
Layout place(const SheetModel& model, const Strip& strip, const PlaceOptions& options = {});

// ---- the steps of it ---------------------------------------------------------------------------------

// What one run taught about an end of a line: the height of its own label, and of what lies beyond it.
struct EndHeight {
    double own = 0, beyond = 0;
};
struct Heights {
    bool stretch = true;    // spread the pins of a box toward what lies beyond their labels
    double gap = node_gap;  // between neighbours of a column
    std::vector<EndHeight>
        of;  // by 2 * place of the line in the strip + (1 for the `to` end); empty: first run
};

struct Columns {
    std::vector<int> of_element;  // by element; -1: not in this strip
    std::vector<Run> runs;        // direction and turns, no nodes yet
    std::vector<int> group_of;    // by element: contacts of one connector in one column share a number
};
Columns choose_columns(const SheetModel& model, const Strip& strip);
// Nodes with their sizes and landings, and the links between them; no positions.
Layout make_nodes(const SheetModel& model, const Strip& strip, const Columns& columns,
                  const Heights& heights);

// Moves nodes up or down, where their column has room, to the height at which more of their lines run
// straight.
void snap(Layout& layout);
// Takes steps of less than a millimetre out of the lines where what they join may move, or makes them wider.
// The strip gets no higher by it unless it may grow. Whether
// anything moved.
bool level_out(Layout& layout, bool may_grow);
// The same for the step of one link alone, by its index in `links`; the layout may grow.
bool level_link(Layout& layout, std::size_t link);

// Sizes of a label (or of a joint's passage) around its line.
struct LabelSize {
    double width = 0, above = 0, below = 0;
};
LabelSize label_size(const Line& line, bool arrow);
std::string tag_of(const Line& line);  // name of the guard, "no guard", or nothing
double tag_width(const Line& line);
double ring_width(const Line& line);
double clearance(const Line& line);  // between the wire and its texts
// Half the length of a symbol between its landings, and its extent above and below its row, in mm.
struct BodySize {
    double length = 0, up = 0, down = 0;
};
BodySize body_size(Symbol symbol);
double pennant_width(const std::string& name, const std::string& square);
constexpr std::size_t flags_shown = 4;
constexpr double flag_lift = 0.3;  // of the name of a contact with flags, which hang below its base line
constexpr double flag_row = 3.3;   // of flags one below the other
constexpr double bar_flags = 1.6;  // from the middle of a bar to the flags beside it
double flag_advance(int number);   // of one flag, with the gap after it
double flags_width(const std::vector<Flag>& flags);
template <typename Flagged>
double flags_room(const Flagged& flagged);
// Of that room what is left before them: flags stand next to the name.
template <typename Flagged>
double spare_room(const Flagged& flagged) {
    return flags_room(flagged) - flags_width(flagged.flags);
}
// What a wire or part keeps for its flags, of every mode, whichever of them are drawn.
template <typename Flagged>
double flags_room(const Flagged& flagged) {
    return std::max(flags_width(flagged.flags), flagged.flag_room);
}

}  // namespace loomward::sheet
