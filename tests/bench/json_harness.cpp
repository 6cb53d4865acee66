#include "tests/bench/json_harness.hpp"

#include <simdjson.h>

#include <nlohmann/json.hpp>
#include <tuple>

namespace loomward::bench {

JsonHarness read_with_nlohmann(const std::string& text) {
    const nlohmann::json root = nlohmann::json::parse(text);
    JsonHarness harness;
    harness.title = root.at("title").get<std::string>();
    const auto text_of = [](const nlohmann::json& object, const char* name) {
        const auto found = object.find(name);
        return found == object.end() ? std::string() : found->get<std::string>();
    };
    for (const auto& object : root.at("parts")) {
        JsonPart& part = harness.parts.emplace_back();
        part.kind = text_of(object, "kind");
        part.name = text_of(object, "name");
        part.label = text_of(object, "label");
        part.type = text_of(object, "is");
        for (const auto& [name, values] : object.at("attributes").items()) {
            JsonAttribute& attribute = part.attributes.emplace_back();
            attribute.name = name;
            for (const auto& value : values) {
                JsonValue& read = attribute.values.emplace_back();
                if (value.is_number()) {
                    read.number = value.get<double>();
                } else {
                    read.word = value.get<std::string>();
                }
            }
        }
    }
    for (const auto& object : root.at("wires")) {
        JsonWire& wire = harness.wires.emplace_back();
        wire.name = text_of(object, "name");
        wire.from = text_of(object, "from");
        wire.to = text_of(object, "to");
        wire.colour = text_of(object, "colour");
        wire.area_mm2 = object.at("mm2").get<double>();
        wire.length_m = object.at("m").get<double>();
        if (const auto found = object.find("in"); found != object.end())
            wire.bundles = found->get<std::vector<std::string>>();
    }
    for (const auto& object : root.at("modes")) {
        JsonMode& mode = harness.modes.emplace_back();
        mode.name = text_of(object, "name");
        mode.like = text_of(object, "like");
        if (const auto found = object.find("closed"); found != object.end())
            mode.closed = found->get<std::vector<std::string>>();
    }
    return harness;
}

namespace {

namespace od = simdjson::ondemand;

std::string text_of(od::value value) {
    return std::string(std::string_view(value.get_string()));
}

std::vector<std::string> texts_of(od::value value) {
    std::vector<std::string> all;
    for (od::value text : value.get_array()) all.push_back(text_of(text));
    return all;
}

void read_part(od::object object, JsonPart& part) {
    for (auto field : object) {
        const std::string_view key = field.unescaped_key();
        if (key == "kind") {
            part.kind = text_of(field.value());
        } else if (key == "name") {
            part.name = text_of(field.value());
        } else if (key == "label") {
            part.label = text_of(field.value());
        } else if (key == "is") {
            part.type = text_of(field.value());
        } else {
            for (auto attribute : field.value().get_object()) {
                JsonAttribute& read = part.attributes.emplace_back();
                read.name = std::string(std::string_view(attribute.unescaped_key()));
                for (od::value value : attribute.value().get_array()) {
                    JsonValue& entry = read.values.emplace_back();
                    if (value.type() == od::json_type::number) {
                        entry.number = value.get_double();
                    } else {
                        entry.word = text_of(value);
                    }
                }
            }
        }
    }
}

void read_wire(od::object object, JsonWire& wire) {
    for (auto field : object) {
        const std::string_view key = field.unescaped_key();
        if (key == "name") {
            wire.name = text_of(field.value());
        } else if (key == "from") {
            wire.from = text_of(field.value());
        } else if (key == "to") {
            wire.to = text_of(field.value());
        } else if (key == "colour") {
            wire.colour = text_of(field.value());
        } else if (key == "mm2") {
            wire.area_mm2 = field.value().get_double();
        } else if (key == "m") {
            wire.length_m = field.value().get_double();
        } else {
            wire.bundles = texts_of(field.value());
        }
    }
}

void read_mode(od::object object, JsonMode& mode) {
    for (auto field : object) {
        const std::string_view key = field.unescaped_key();
        if (key == "name") {
            mode.name = text_of(field.value());
        } else if (key == "like") {
            mode.like = text_of(field.value());
        } else {
            mode.closed = texts_of(field.value());
        }
    }
}

}  // namespace

JsonHarness read_with_simdjson(std::string_view text, std::size_t capacity) {
    od::parser parser;
    od::document document = parser.iterate(simdjson::padded_string_view(text, capacity));
    JsonHarness harness;
    for (auto field : document.get_object()) {
        const std::string_view key = field.unescaped_key();
        if (key == "title") {
            harness.title = text_of(field.value());
        } else if (key == "parts") {
            for (od::object part : field.value().get_array()) read_part(part, harness.parts.emplace_back());
        } else if (key == "wires") {
            for (od::object wire : field.value().get_array()) read_wire(wire, harness.wires.emplace_back());
        } else if (key == "modes") {
            for (od::object mode : field.value().get_array()) read_mode(mode, harness.modes.emplace_back());
        }
    }
    return harness;
}

bool equal(const JsonHarness& a, const JsonHarness& b) {
    const auto same_wire = [](const JsonWire& x, const JsonWire& y) {
        return std::tie(x.name, x.from, x.to, x.colour, x.area_mm2, x.length_m, x.bundles) ==
               std::tie(y.name, y.from, y.to, y.colour, y.area_mm2, y.length_m, y.bundles);
    };
    // nlohmann sorts the members of an object, so attributes are only counted
    const auto same_part = [](const JsonPart& x, const JsonPart& y) {
        return std::tie(x.kind, x.name, x.label, x.type) == std::tie(y.kind, y.name, y.label, y.type) &&
               x.attributes.size() == y.attributes.size();
    };
    const auto same_mode = [](const JsonMode& x, const JsonMode& y) {
        return std::tie(x.name, x.like, x.closed) == std::tie(y.name, y.like, y.closed);
    };
    return a.title == b.title &&
           std::equal(a.wires.begin(), a.wires.end(), b.wires.begin(), b.wires.end(), same_wire) &&
           std::equal(a.parts.begin(), a.parts.end(), b.parts.begin(), b.parts.end(), same_part) &&
           std::equal(a.modes.begin(), a.modes.end(), b.modes.begin(), b.modes.end(), same_mode);
}

}  // namespace loomward::bench
