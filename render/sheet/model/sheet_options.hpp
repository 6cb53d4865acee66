// What a sheet is to show, and on what.
#pragma once
#include <string>

namespace loomward {

struct Results;

// `fitting`: A4 where all of it goes on one page of it, uncut and no smaller, else A3.
enum class Paper { fitting, a4, a3, letter, tabloid };
enum class Theme { light, dark };
// Who reads it: whoever works on the harness, or whoever owns the machine.
enum class Reader { workshop, owner };

struct SheetOptions {
    Paper paper = Paper::fitting;
    Theme theme = Theme::light;
    // The one mode the results are of: what carries no current in it is drawn paler. Empty: the worst of all.
    std::string mode = {};
    // Of the same harness in all its modes: where it is given, they decide where everything stands, so that
    // the sheets of two modes lie on each other, and `mode` only paints. Not owned.
    const Results* laid_out_for = nullptr;
    bool loading = true;       // gauges of how far each wire is loaded
    bool findings = true;      // flags where something is found, and how many there are
    bool currents = false;     // in their place: "12 of 20 A", what flows in the worst mode and may flow
    bool temperature = false;  // in their place: what each conductor settles at
    // Only a part, wire, cable, bundle or location with what hangs together with it, or "zone:F1": the wires
    // that F1 guards.
    std::string only = {};
    // Only the way of least resistance between two terminals, with the drop on each piece. A current of 0:
    // the largest any wire of it carries.
    std::string path_from = {}, path_to = {};
    double path_A = 0;
    // For the owner: no flags and no gauges, in their place what switches the machine off and which fuse is
    // for what.
    Reader reader = Reader::workshop;
};

}  // namespace loomward
