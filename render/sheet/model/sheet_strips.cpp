// One strip a source: what still hangs together after every converter is cut between input and output.
#include <algorithm>
#include <map>
#include <numeric>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

class Groups {
  public:
    explicit Groups(std::size_t count) : head_(count) { std::iota(head_.begin(), head_.end(), 0); }
    int find(int i) {
        while (at(i) != i) i = at(i) = at(at(i));
        return i;
    }
    void join(int a, int b) {
        a = find(a), b = find(b);
        at(std::max(a, b)) = std::min(a, b);
    }

  private:
    int& at(int i) { return head_[static_cast<std::size_t>(i)]; }
    std::vector<int> head_;
};

// The cut of a converter serves nothing where a half has no wire, or both halves hang together anyway.
void close_useless_cuts(SheetModel& model, Groups& groups, std::vector<bool>& wired) {
    std::vector<int> joined(model.elements.size(), -1);  // output half -> input half it went into
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        Element& input = model.elements[i];
        if (!input.input_half) continue;
        const auto o = static_cast<std::size_t>(input.other_half);
        const int a = static_cast<int>(i), b = static_cast<int>(o);
        if (wired[i] && wired[o] && groups.find(a) != groups.find(b)) continue;
        Element& output = model.elements[o];
        joined[o] = a;
        // A selection may have taken one half alone.
        input.dropped = input.dropped && output.dropped;
        for (const Pin& pin : output.pins) input.pins.push_back(pin);
        for (const Flag& flag : output.flags) input.flags.push_back(flag);
        input.other_half = output.other_half = -1;
        input.input_half = false;
        input.backup_source = true;
        wired[i] = wired[i] || wired[o];
        wired[o] = false;
        groups.join(a, b);
    }
    for (Line& line : model.lines)
        for (End* end : {&line.from, &line.to})
            if (const int input = joined[static_cast<std::size_t>(end->element)]; input >= 0) {
                const auto& into = model.elements[static_cast<std::size_t>(input)].pins;
                const auto& was = model.elements[static_cast<std::size_t>(end->element)].pins;
                end->pin += static_cast<int>(into.size() - was.size());
                end->element = input;
            }
    for (std::size_t o = 0; o < joined.size(); ++o)
        if (joined[o] >= 0) {
            model.elements[o].pins.clear();
            model.elements[o].form = Form::box;
            model.elements[o].strip = -2;  // drawn as part of the other half
        }
}

std::string caption_of(const SheetModel& model, const Strip& strip) {
    const auto list = [&](auto chosen) {
        std::vector<std::string> names;
        for (const int index : strip.elements) {
            const Element& element = model.elements[static_cast<std::size_t>(index)];
            if (chosen(element)) names.push_back(element.name);
        }
        std::string text;
        for (std::size_t i = 0; i < std::min<std::size_t>(names.size(), 4); ++i)
            text += (i ? ", " : " ") + names[i];
        if (names.size() > 4) text += " and " + std::to_string(names.size() - 4) + " more";
        return text;
    };
    if (const std::string names = list([](const Element& e) { return e.main_source; }); !names.empty())
        return "Fed by" + names;
    if (!model.part_shown.empty()) {
        std::string shown = model.part_shown;
        if (shown[0] >= 'a' && shown[0] <= 'z') shown[0] = static_cast<char>(shown[0] - 'a' + 'A');
        return shown;
    }
    if (const std::string names = list([](const Element& e) { return e.backup_source; }); !names.empty())
        return "Around" + names;
    return "No source";
}

}  // namespace

void deal_strips(SheetModel& model) {
    Groups groups(model.elements.size());
    std::vector<bool> wired(model.elements.size());
    for (const Line& line : model.lines) {
        if (line.dropped) continue;
        groups.join(line.from.element, line.to.element);
        wired[static_cast<std::size_t>(line.from.element)] =
            wired[static_cast<std::size_t>(line.to.element)] = true;
    }
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (const int bar = model.elements[i].on_bar; bar >= 0 && !model.elements[i].dropped) {
            groups.join(static_cast<int>(i), bar);
            wired[i] = wired[static_cast<std::size_t>(bar)] = true;
        }
    close_useless_cuts(model, groups, wired);

    std::map<int, int> strip_of_group;
    std::vector<Strip> strips;
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        Element& element = model.elements[i];
        if (element.strip == -2 || element.dropped) continue;
        if (!wired[i]) {
            model.unwired.push_back(static_cast<int>(i));
            continue;
        }
        const auto [entry, fresh] = strip_of_group.try_emplace(groups.find(static_cast<int>(i)), 0);
        if (fresh) entry->second = static_cast<int>(strips.size()), strips.emplace_back();
        element.strip = entry->second;
        strips[static_cast<std::size_t>(entry->second)].elements.push_back(static_cast<int>(i));
    }
    for (std::size_t i = 0; i < model.lines.size(); ++i) {
        if (model.lines[i].dropped) continue;
        const int strip = model.elements[static_cast<std::size_t>(model.lines[i].from.element)].strip;
        strips[static_cast<std::size_t>(strip)].lines.push_back(static_cast<int>(i));
    }
    for (Strip& strip : strips) strip.caption = caption_of(model, strip);
    model.strips = std::move(strips);
}

}  // namespace loomward::sheet
