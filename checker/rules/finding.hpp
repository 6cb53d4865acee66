// A finding: what a rule says about one part or wire, with all that it rests on. A value; nothing prints
// here.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/circuit/path.hpp"
#include "checker/parts/corner.hpp"
#include "parser/harness.hpp"

namespace loomward {

enum class Severity : std::uint8_t { error, warning, note };

// A number a finding rests on, for machines: {"current", 96.0, Dimension::current}.
struct Figure {
    std::string name;
    double value = 0;
    Dimension dimension = Dimension::none;
};

// Another place that took part: "fuse F3 is rated 40 A here".
struct Related {
    Span where;
    std::string text;
};

// Where one value decides a finding whatever the others left open are: it is told on one side of it.
struct Turn {
    Quantity at;         // from the last value on the one side to the first on the other, within 1 %
    bool above = false;  // told above it
};
inline double middle_of(const Turn& turn) {
    return (turn.at.lo + turn.at.hi) / 2;
}

// An open value that may decide a finding.
struct OpenCause {
    std::string subject;  // "W24"
    std::string name;     // of the attribute: "length"
    std::string taken;    // "0.2..5 m"; empty: nothing is
    std::optional<Turn> turns = {};
};

// A figure that would pass, for programs: "carries of J1, at least 60 A". It is the least (or most) that all
// clauses of the rule let pass at that place as the harness stands; figures of shops are the next beyond it.
struct Cure {
    Attr what{};           // "carries"; of a setting in per cent the current it stands for
    std::string where;     // path of the part, wire or terminal: "J1", "W7", "U1.main"
    bool at_least = true;  // else at most
    double value = 0;      // base unit
    Dimension dimension = Dimension::none;
    PartId part = {};  // whichever of these `where` names
    WireId wire = {};
    TerminalId terminal = {};  // besides `part`, where a contact or pin of its own is meant
    std::uint8_t way = 0;      // figures of one number are needed together; another number is another way
};

// What an open rating has to be, as a figure that can be written in and held.
struct RequiredFigure {
    Attr what{};       // "carries"
    std::string verb;  // "carry", "be"
    double least = 0;  // base unit, as it is told; above 0
    Dimension dimension = Dimension::none;
    std::vector<double> ratings =
        {};                 // standard ones of which any would do, ascending; empty: from `least` up
    double at_V = 0;        // the voltage it is told at, and written in with; 0: none
    std::string rest = {};  // what follows: ", with peaks of 300 A"
};
// "carry 60 A", "be 20 or 25 A", "break 3.1 kA at 14.6 V dc"
std::string to_text(const RequiredFigure& required);

// Same rules for wording as Diagnostic: lower case, no full stop, the message stands alone.
struct Finding {
    // What is done to it as a whole is compiled once, not in every file that knows it.
    Finding();
    ~Finding();
    Finding(const Finding&);
    Finding(Finding&&) noexcept;
    Finding& operator=(const Finding&);
    Finding& operator=(Finding&&) noexcept;

    std::string rule;  // kebab-case
    Severity severity{};
    Span where;           // where the caret goes; invalid only for findings about the whole harness
    std::string subject;  // path of the part, wire, mode or contact: "W7", "J1.1"
    PartId part;          // whichever it is about; both invalid: the harness
    WireId wire;
    std::string message;               // "wire W7 carries more than it may"
    std::string beside;                // short, next to the caret: "96 A; may carry 80 A here"
    std::vector<Step> witness;         // where the current comes from and goes to, in order; may be empty
    std::vector<std::string> working;  // lines: "96 A = 300 A x 80 % x 40 % (supply limit of U1)"
    std::vector<Figure> figures;
    std::string source;  // standard and clause, with "(memory)" where it is that
    std::optional<Corner> corner;
    ModeId mode;       // invalid: in every mode
    std::string help;  // what would pass: "25 mm2 or larger would carry it"
    std::vector<Related> related;
    std::optional<std::size_t>
        accepted;              // index into Harness::acceptances; then it does not count in the verdict
    std::uint32_t copies = 1;  // of a repeated assembly, folded into one
    // True: it holds for some of what the file leaves open; false: for all of it that was tried.
    bool possible = false;
    std::vector<OpenCause> hangs_on;  // of a possible one: the open values on its way
    // Of an open rating: what it has to be ("break 3.1 kA at 14.6 V dc"); empty elsewhere.
    std::string requirement;
    std::optional<RequiredFigure> required;  // the figure in it, where a check can hold it
    // What would pass, way by way. Empty: no figure alone would, or none is known that would.
    std::vector<Cure> cures = {};

    // Asks for a value, and tells of nothing that is wrong.
    bool asks() const { return rule == "missing-data"; }
};

// The same rule of the same thing, in whatever mode and however grave.
bool is_same_thing(const Finding& a, const Finding& b);

}  // namespace loomward
