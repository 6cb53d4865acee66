// A bar with more lines than a page is high is drawn in pieces, each of which says where the bar goes on.
#include <algorithm>
#include <map>
#include <set>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

constexpr double area_of_the_way_on_mm2 = 9;  // drawn about as thick as a bar

// Lines a bar may have that is drawn whole: as many labels as stand one above the other on a page. Pieces
// have fewer, since a harness with such a bar often has a long list of findings below the drawing.
struct Lengths {
    std::size_t whole = 0, piece = 0;
};
Lengths lengths_for(Paper paper) {
    return paper == Paper::a4 || paper == Paper::letter ? Lengths{20, 10} : Lengths{34, 18};
}

// One line that ends at a bar, or a device that stands on it with all its lines.
struct Hanging {
    int first_line = 0;  // by which they are ordered
    int guest = -1;
    bool at_from = false;
};

class LongBars {
  public:
    LongBars(SheetModel& model, const Lengths& most) : model_(model), most_(most) {
        for (std::size_t i = 0; i < model.lines.size(); ++i) {
            const Line& line = model.lines[i];
            if (line.dropped) continue;
            for (const bool at_from : {true, false}) {
                const int end = (at_from ? line.from : line.to).element;
                const Element& element = model.elements[static_cast<std::size_t>(end)];
                if (const int bar = carrier_of(element); bar >= 0) {
                    if (element.on_bar >= 0 && seated_.insert(end).second)
                        hanging_[bar].push_back({static_cast<int>(i), end, false});
                } else if (element.form == Form::bar || element.form == Form::point) {
                    hanging_[end].push_back({static_cast<int>(i), -1, at_from});
                }
            }
        }
    }

    void part_all() {
        for (const auto& [bar, hanging] : hanging_)
            if (hanging.size() > most_.whole) part(bar, hanging);
    }

  private:
    Element& element(int index) { return model_.elements[static_cast<std::size_t>(index)]; }

    void part(int bar, const std::vector<Hanging>& hanging) {
        element(bar).form = Form::bar;
        // Pieces as even as can be.
        const std::size_t pieces = (hanging.size() + most_.piece - 1) / most_.piece;
        const std::size_t each = (hanging.size() + pieces - 1) / pieces;
        int piece = bar;
        for (std::size_t i = 0; i < hanging.size(); ++i) {
            if (i > 0 && i % each == 0) piece = add_piece(bar, piece, i / each + 1);
            if (piece == bar) continue;
            const Hanging& one = hanging[i];
            if (one.guest >= 0) {
                element(one.guest).on_bar = piece;
            } else {
                Line& line = model_.lines[static_cast<std::size_t>(one.first_line)];
                (one.at_from ? line.from : line.to).element = piece;
            }
        }
    }

    int add_piece(int bar, int before, std::size_t number) {
        Element more = element(bar);
        more.flags.clear();
        more.flag_room = 0;
        more.rating.clear();
        more.name += " (" + std::to_string(number) + ")";
        const int index = static_cast<int>(model_.elements.size()), strip = more.strip;
        const bool collects = more.collects;
        Line way;
        way.from = {before, 0};
        way.to = {index, 0};
        way.area_mm2 = area_of_the_way_on_mm2;
        way.bar_goes_on = true;
        way.name = "to " + more.name;
        way.text = "goes on";
        way.title = element(bar).name + " goes on as " + more.name;
        way.is_return = way.collected = collects;
        model_.elements.push_back(std::move(more));
        if (strip >= 0) {
            Strip& of = model_.strips[static_cast<std::size_t>(strip)];
            of.elements.push_back(index);
            of.lines.push_back(static_cast<int>(model_.lines.size()));
        }
        model_.lines.push_back(std::move(way));
        return index;
    }

    SheetModel& model_;
    Lengths most_;
    std::map<int, std::vector<Hanging>> hanging_;  // by bar, in the order of their lines
    std::set<int> seated_;
};

}  // namespace

void part_long_bars(SheetModel& model, Paper paper) {
    LongBars(model, lengths_for(paper)).part_all();
}

}  // namespace loomward::sheet
