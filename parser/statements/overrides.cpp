#include "parser/statements/overrides.hpp"

#include <algorithm>

#include "parser/routes/wires.hpp"

namespace loomward {
namespace {

class OverrideReader {
  public:
    OverrideReader(Reading& reading, Scope& scope, const Instance& instance)
        : reading_(reading),
          scope_(scope),
          instance_(instance),
          body_(*instance.body),
          wires_(instance.body->wires) {}

    std::vector<Wire> apply() {
        if (!instance_.block) return std::move(wires_);
        const FileText& file = instance_.file;
        for_each_element(file, instance_.block + 1, file.node(instance_.block).next,
                         [&](std::uint32_t element) {
                             if (is_override(file, element)) read(element);
                         });
        return std::move(wires_);
    }

  private:
    void read(std::uint32_t element) {
        const FileText& file = instance_.file;
        Tokens tokens(file, element);
        const Token name = tokens.next();
        const Token block = tokens.next();
        const Located found = locate(body_, name.text);
        if (!found.entity || !found.rest.empty()) {
            say_unknown(reading_, body_, name.text, name.where, "thing in " + std::string(instance_.name),
                        {EntityKind::part, EntityKind::wire, EntityKind::bundle, EntityKind::cable});
            return;
        }
        const Kind kind = kind_of(found);
        AttributeList own;
        const Owner owner{kind, name.text, name.where};
        if (!can_change(found.kind)) {
            reading_
                .say("wrong-kind", name.where,
                     "'" + std::string(name.text) + "' is a " +
                         std::string(word_of(*found.within, *found.entity)) +
                         ", which cannot be changed from outside")
                .notes.push_back(
                    {found.entity->where, std::string(found.entity->name) + " is described here"});
            return;
        }
        if (!reading_.read_attributes(file, block.node + 1, file.node(block.node).next, owner, own)) return;
        if (!may_change(own, name.text)) return;
        if (found.kind == EntityKind::wire)
            change_wire(wires_[found.index], own);
        else if (found.kind == EntityKind::cable)
            for (const WireId core : body_.cables[found.index].cores) change_wire(wires_[core.index()], own);
        else if (found.kind == EntityKind::bundle)
            change_bundle(found.index, owner, own);
        else
            change_part(found.index, owner, own);
    }

    static bool can_change(EntityKind kind) {
        return kind == EntityKind::part || kind == EntityKind::wire || kind == EntityKind::bundle ||
               kind == EntityKind::cable;
    }

    Kind kind_of(const Located& found) const {
        switch (found.kind) {
            case EntityKind::wire:
                return Kind::wire;
            case EntityKind::cable:
                return Kind::cable;
            case EntityKind::bundle:
                return Kind::bundle;
            case EntityKind::part:
                return body_.parts[found.index].kind;
            default:
                return Kind::assembly;
        }
    }

    bool may_change(const AttributeList& own, std::string_view name) {
        for (const Attribute& attribute : own.attributes) {
            if (!info(attribute.name).limits.fixed) continue;
            reading_
                .say("fixed", attribute.where,
                     "'" + std::string(info(attribute.name).name) + "' of " + std::string(name) +
                         " is the same in every copy")
                .help = "what decides terminals and wiring stands in the part itself";
            return false;
        }
        return true;
    }

    void change_wire(Wire& wire, const AttributeList& own) { change_wire_fields(reading_, body_, wire, own); }

    // The attributes as stored, with the later ones put over them; nullopt where something is wrong.
    Slice changed(Kind kind, Slice before, const Owner& owner, const AttributeList& own) {
        AttributeList list;
        for (const Attribute& attribute : reading_.harness.attributes_of(before)) {
            Attribute copy = attribute;
            copy.first = static_cast<std::uint32_t>(list.values.size());
            const auto values = reading_.harness.values_of(attribute);
            list.values.insert(list.values.end(), values.begin(), values.end());
            list.attributes.push_back(copy);
        }
        merge(kind, list, own);
        reading_.attributes.complete(owner, list);
        return store(list, reading_.harness);
    }

    void change_bundle(std::uint32_t index, const Owner& owner, const AttributeList& own) {
        const Slice slice = changed(Kind::bundle, body_.bundles[index].attributes, owner, own);
        const Value at = own.value("at"_attr);
        const LocationId location = at.present() ? location_named(reading_, body_, at) : LocationId();
        for (std::uint32_t copy = 0; copy < instance_.copies; ++copy) {
            Bundle& bundle = scope_.bundles[instance_.first_bundle + copy * body_.bundles.size() + index];
            bundle.attributes = slice;
            if (location) bundle.location = moved(location, copy);
        }
    }

    void change_part(std::uint32_t index, const Owner& owner, const AttributeList& own) {
        const Slice slice = changed(owner.kind, body_.parts[index].attributes, owner, own);
        const Value at = own.value("at"_attr);
        const LocationId location = at.present() ? location_named(reading_, body_, at) : LocationId();
        for (std::uint32_t copy = 0; copy < instance_.copies; ++copy) {
            const PartId id(instance_.part_of(copy, index));
            Part& part = scope_.parts[id.index()];
            part.attributes = slice;
            if (!location) continue;
            // What sits in it moves along, unless it lies elsewhere.
            for (Part& fuse : scope_.parts)
                if (fuse.holder == id && fuse.location == part.location)
                    fuse.location = moved(location, copy);
            part.location = moved(location, copy);
        }
    }

    LocationId moved(LocationId location, std::uint32_t copy) const {
        return LocationId(instance_.first_location + copy * body_.locations.size() + location.index());
    }

    Reading& reading_;
    Scope& scope_;
    const Instance& instance_;
    const Scope& body_;
    std::vector<Wire> wires_;
};

}  // namespace

bool is_override(const FileText& file, std::uint32_t element) {
    Tokens tokens(file, element);
    if (!tokens.next().is_word()) return false;
    return tokens.peek().is(NodeKind::block);
}

std::vector<Wire> apply_overrides(Reading& reading, Scope& scope, const Instance& instance) {
    return OverrideReader(reading, scope, instance).apply();
}

}  // namespace loomward
