// The frame of every page that the program writes: one file, nothing fetched, readable without script, on a
// phone, in the dark and on paper.
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "render/html/html.hpp"

namespace loomward {

struct HtmlSection {
    std::string id;           // the program's own: "first"
    std::string title;        // "What to do first"
    std::string short_title;  // in the strip at the top: "First"; empty: not there
    Html body;
    std::string style = {};  // rules that only its body needs
};

struct HtmlPage {
    std::string title;       // of the window and, as the first line, of the page
    std::vector<Html> meta;  // lines below it
    Html top;                // between them and the sections: tools
    std::vector<HtmlSection> sections;
    std::string style;    // beyond page_style(): the program's own
    std::string script;   // the program's own; empty: none, and none may run
    std::string data;     // JSON for the script; any `<` in it is escaped here
    Html end;             // after the sections
    bool narrow = false;  // as wide as a sheet of paper: for pages that are meant to be printed
    std::string footer;   // in the margin of each printed page, with its number; empty: none
};

// One document. The policy in its head forbids every request, and every script but its own (by its hash).
std::string html_document(const HtmlPage& page);

// Colours (light, dark, paper), type, tables, flags, boxes, print rules: what html_parts.hpp needs.
std::string page_style();

}  // namespace loomward
