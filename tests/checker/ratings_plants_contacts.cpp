// Limits of contacts, bars, blocks and splices.
#include "tests/checker/ratings_plants.hpp"

namespace planted {

using namespace loomward;
using namespace loomward::literals;
using PartKind = loomward::Kind;

namespace {

const std::string ten_amperes =
    "load E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
    "route X1.2 (W10 6 mm2, 0.5 m, red) ";
const std::string onward = " (W11 6 mm2, 0.5 m, red) E1 (W12 6 mm2, 0.5 m, black) X2.2\nmode on { ";

// A part between the bar and a load of 10 A: its statement, the way through it, and the line of the mode.
std::string between(const std::string& statement, const std::string& through, const std::string& line) {
    return statement + "\n" + ten_amperes + through + onward + line + "others at rest }\n";
}

struct Contact {
    PartKind kind;
    std::string before, after;  // of what stands between, in its statement
    std::string through;
    std::string subject;
    std::string line;
};

std::vector<Contact> contacts() {
    return {
        {PartKind::switch_, "switch K1 { 80 V dc, ", " }", "K1", "K1", "K1 closed, "},
        {PartKind::contactor, "contactor K1 { coil 48 V 100 mA, coil-works 20..60 V, suppression diode, ",
         " }\nroute X1.3 (W13 1 mm2, 0.2 m) K1.A1\nroute K1.A2 (W14 1 mm2, 0.2 m) X2.3", "K1", "K1",
         "K1 closed, "},
        {PartKind::relay,
         "relay K1 { contacts no, coil 48 V 100 mA, coil-works 20..60 V, suppression diode, ",
         " }\nroute X1.3 (W13 1 mm2, 0.2 m) K1.A1\nroute K1.A2 (W14 1 mm2, 0.2 m) X2.3", "K1", "K1",
         "K1 energised, "},
        {PartKind::selector, "selector K1 { terminals a b, position off, position on a b, 80 V dc, ", " }",
         "K1.a>b", "K1", "K1 at on, "},
    };
}

void of_contacts(std::vector<Limit>& limits) {
    for (const Contact& each : contacts()) {
        const auto put = [&](Attr attribute, const std::string& rule, const std::string& attributes,
                             const std::string& inside, const std::string& outside) {
            limits.push_back({each.kind, attribute, rule, each.subject,
                              between(each.before + attributes + each.after, each.through, each.line), "", "",
                              inside, outside});
        };
        put("carries"_attr, "overloaded-contact", "carries @ A, breaks 20 A at 80 V dc", "10.01", "9.99");
        put("breaks"_attr, "breaking-current", "carries 20 A, breaks @ A at 80 V dc", "10.01", "9.99");
        put("breaks"_attr, "contact-voltage", "carries 20 A, breaks 20 A at @ V dc", "50.01", "49.95");
        put("withstands"_attr, "short-time-withstand",
            "carries 20 A, breaks 20 A at 80 V dc, withstands @ A for 1 s", "20000", "20");
    }
    for (const Contact& each : contacts()) {
        if (each.kind == PartKind::selector) continue;
        const bool sw = each.kind == PartKind::switch_;
        if (!sw)
            limits.push_back({each.kind, "(operational-voltage)"_attr, "contact-voltage", each.subject,
                              between(each.before + "carries 20 A, breaks 20 A, @ V dc" + each.after,
                                      each.through, each.line),
                              "", "", "50.01", "49.95"});
        limits.push_back({each.kind, "nominal"_attr, "contact-voltage", each.subject,
                          between((sw ? "switch K1 { " : each.before) +
                                      "carries 20 A, breaks unknown, nominal @ V" + each.after,
                                  each.through, each.line),
                          "", "", "50.01", "49.95"});
    }
    for (const std::string kind :
         {"switch K1 { ", "selector K1 { terminals a b, position off, position on a b, "})
        limits.push_back(
            {kind[1] == 'w' ? PartKind::switch_ : PartKind::selector, "(operational-voltage)"_attr,
             "contact-voltage", "K1",
             between(kind + "@ V dc, carries 20 A, breaks 20 A at 80 V dc }",
                     kind[1] == 'w' ? "K1" : "K1.a>b", kind[1] == 'w' ? "K1 closed, " : "K1 at on, "),
             "", "", "50.01", "49.95"});
}

// What closes on a load with a surge of 30 A.
void of_making(std::vector<Limit>& limits) {
    for (const Contact& each : contacts())
        limits.push_back(
            {each.kind, "makes"_attr, "making-current", each.subject,
             each.before + "carries 20 A, breaks 20 A at 80 V dc, makes @ A" + each.after +
                 "\nload E1 { 48 V, 10 A, acts-as current, works 20..60 V, inrush 30 A for 0.1 s }\n"
                 "route X1.2 (W10 6 mm2, 0.5 m, red) " +
                 each.through + onward + each.line + "others at rest }\nmode off { others at rest }\n",
             "", "", "30.03", "29.97"});
}

void of_coils(std::vector<Limit>& limits) {
    for (const PartKind kind : {PartKind::contactor, PartKind::relay}) {
        const std::string statement =
            kind == PartKind::contactor
                ? "contactor K1 { carries 20 A, breaks 20 A at 80 V dc, suppression diode, coil 48 V 100 mA, "
                : "relay K1 { contacts no, carries 20 A, breaks 20 A at 80 V dc, suppression diode, coil 48 "
                  "V "
                  "100 mA, ";
        const std::string way = " }\nroute X1.3 (direct) K1.A1\nroute K1.A2 (direct) X2.3\nmode on { K1 " +
                                std::string(kind == PartKind::contactor ? "closed" : "energised") +
                                ", others at rest }\n";
        limits.push_back({kind, "coil-works"_attr, "coil-voltage", "K1",
                          statement + "coil-works 20..@ V" + way, "", "", "50.05", "49.95"});
        limits.push_back({kind, "coil-works"_attr, "coil-voltage", "K1",
                          statement + "coil-works @..60 V" + way, "", "", "39.9", "40.05"});
    }
    limits.push_back(
        {PartKind::contactor, "polarised"_attr, "breaking-current", "K1",
         between("contactor K1 { coil 48 V 100 mA, coil-works 20..60 V, suppression diode, carries 20 "
                 "A, breaks 20 A at 80 V dc, polarised @ }\nroute X1.3 (direct) K1.A1\nroute K1.A2 "
                 "(direct) X2.3",
                 "K1.out>in", "K1 closed, "),
         "", "", "no", "yes"});
}

// At 30 degC, where it is rated, it may carry what it says.
const std::string plug = "connector J1 { mate P1, half socket, contacts 2, contact-resistance 0.4 mohm, ";
void of_connectors(std::vector<Limit>& limits) {
    const auto put = [&](Attr attribute, const std::string& rule, const std::string& subject,
                         const std::string& attributes, const std::string& inside,
                         const std::string& outside) {
        limits.push_back({PartKind::connector, attribute, rule, subject,
                          between(plug + attributes + " }", "J1.1", ""), "", "", inside, outside});
    };
    put("carries"_attr, "overloaded-contact", "J1.1",
        "80 V, carries @ A, takes 4..10 mm2, rated-at 30 degC, limit 105 degC", "10.01", "9.99");
    put("contact"_attr, "overloaded-contact", "J1.1",
        "80 V, carries 40 A, contact 1 @ A 4..10 mm2, takes 4..10 mm2, rated-at 30 degC, limit 105 degC",
        "10.01", "9.99");
    put("(rated-voltage)"_attr, "contact-voltage", "J1",
        "@ V, carries 40 A, takes 4..10 mm2, rated-at 30 degC, limit 105 degC", "50.01", "49.95");
    put("takes"_attr, "size-mismatch", "W10",
        "80 V, carries 40 A, takes 1..@ mm2, rated-at 30 degC, limit 105 degC", "5.831", "5.819");
    put("takes"_attr, "size-mismatch", "W10",
        "80 V, carries 40 A, takes @..10 mm2, rated-at 30 degC, limit 105 degC", "6.18", "6.19");
    // 11 A x sqrt((L - 30)/(L - 20)) is 10 A at L = 77.619 degC.
    put("rated-at"_attr, "overloaded-contact", "J1.1",
        "80 V, carries 11 A, takes 4..10 mm2, rated-at @ degC, limit 77.619 degC", "20.05", "19.95");
    put("limit"_attr, "overloaded-contact", "J1.1",
        "80 V, carries 11 A, takes 4..10 mm2, rated-at 20 degC, limit @ degC", "77.7", "77.5");
    put("limit"_attr, "hot-place", "J1",
        "80 V, carries 40 A, takes 4..10 mm2, rated-at 20 degC, limit @ degC", "30.03", "29.97");
    put("withstands"_attr, "short-time-withstand", "J1",
        "80 V, carries 40 A, takes 4..10 mm2, rated-at 30 degC, limit 105 degC, withstands @ A for 1 s",
        "20000", "20");
    limits.push_back(
        {PartKind::connector, "breaks"_attr, "breaking-current", "J1.1",
         between(plug + "80 V, carries 40 A, takes 4..10 mm2, rated-at 30 degC, limit 105 degC, breaks @ "
                        "A at 80 V dc }",
                 "J1.1", "") +
             "mode pulled { after on 10 s, J1 unmated, others at rest }\n",
         "", "", "10.01", "9.99"});
    limits.push_back(
        {PartKind::connector, "half"_attr, "live-when-unmated", "J1",
         between("connector J1 { mate P1, half @, contacts 2, 80 V, carries 40 A, takes 4..10 mm2, "
                 "rated-at 30 degC, limit 105 degC }",
                 "J1.1", ""),
         "", "", "socket", "pin"});
    // Two wires of 2.5 mm2 in one contact, with 3 % of grace for sizes.
    limits.push_back(
        {PartKind::connector, "takes"_attr, "crowded-contact", "J1.1",
         between(plug + "80 V, carries 40 A, takes 1..@ mm2, rated-at 30 degC, limit 105 degC }\n"
                        "route X1.3 (W20 2.5 mm2, 0.2 m) J1.1\nroute X1.4 (W21 2.5 mm2, 0.2 m) J1.1",
                 "K1", "K1 closed, ") +
             "switch K1 { 80 V dc, carries 20 A, breaks 20 A at 80 V dc }\n",
         "", "", "4.86", "4.85"});
}

void of_blocks(std::vector<Limit>& limits) {
    const auto put = [&](PartKind kind, Attr attribute, const std::string& rule, const std::string& subject,
                         const std::string& statement, const std::string& through, const std::string& inside,
                         const std::string& outside) {
        limits.push_back(
            {kind, attribute, rule, subject, between(statement, through, ""), "", "", inside, outside});
    };
    put(PartKind::terminal_block, "carries"_attr, "overloaded-contact", "X5",
        "terminal-block X5 { 80 V, ways 1, carries @ A, takes 4..10 mm2 }", "X5.1", "10.01", "9.99");
    put(PartKind::terminal_block, "(rated-voltage)"_attr, "contact-voltage", "X5",
        "terminal-block X5 { @ V, ways 1, carries 20 A, takes 4..10 mm2 }", "X5.1", "50.01", "49.95");
    put(PartKind::terminal_block, "takes"_attr, "size-mismatch", "W10",
        "terminal-block X5 { 80 V, ways 1, carries 20 A, takes 1..@ mm2 }", "X5.1", "5.831", "5.819");
    // Four wires of 6 mm2 in the two clamps of a way: 12 mm2 in each.
    put(PartKind::terminal_block, "takes"_attr, "crowded-contact", "X5.1",
        "terminal-block X5 { 80 V, ways 1, carries 20 A, takes 1..@ mm2 }\n"
        "route X1.3 (W20 6 mm2, 0.2 m) X5.1\nroute X1.4 (W21 6 mm2, 0.2 m) X5.1",
        "X5.1", "11.66", "11.64");
    put(PartKind::splice, "carries"_attr, "overloaded-contact", "X5", "splice X5 { carries @ A }", "X5",
        "10.01", "9.99");
    put(PartKind::stud, "carries"_attr, "overloaded-contact", "X5", "stud X5 { carries @ A }", "X5", "10.01",
        "9.99");
    put(PartKind::busbar, "carries"_attr, "overloaded-contact", "X5", "busbar X5 { studs 2, carries @ A }",
        "X5.1", "10.01", "9.99");
    put(PartKind::splice, "method"_attr, "mixed-metals", "X5",
        "splice X5 { method crimp }\nroute X1.3 (W20 10 mm2, 0.2 m, red, material @) X5", "X5", "copper",
        "aluminium");
    const std::string fused =
        "fuse F5 { 12 A, 80 V dc, breaks 50 kA at 80 V dc, curve ul248-14, holder X5.1 }\n"
        "load E1 { 48 V, 10 A, acts-as current, works 20..60 V }\n"
        "route X1.2 (W10 6 mm2, 0.5 m, red) X5.in\n"
        "route F5.out (W11 6 mm2, 0.5 m, red) E1 (W12 6 mm2, 0.5 m, black) X2.2\n"
        "mode on { others at rest }\n";
    const auto block = [&](Attr attribute, const std::string& rule, const std::string& subject,
                           const std::string& statement, const std::string& inside,
                           const std::string& outside) {
        limits.push_back({PartKind::fuse_block, attribute, rule, subject, statement + "\n" + fused, "", "",
                          inside, outside});
    };
    block("carries"_attr, "overloaded-contact", "X5",
          "fuse-block X5 { 80 V, ways 2, feed common, carries @ A, way-carries 20 A }", "10.01", "9.99");
    block("(rated-voltage)"_attr, "contact-voltage", "X5",
          "fuse-block X5 { @ V, ways 2, feed common, carries 20 A, way-carries 20 A }", "50.01", "49.95");
    block("way-carries"_attr, "overloaded-contact", "X5",
          "fuse-block X5 { 80 V, ways 2, feed common, carries 20 A, way-carries @ A }", "10.01", "9.99");
    block("way-carries"_attr, "fuse-above-holder", "F5",
          "fuse-block X5 { 80 V, ways 2, feed common, carries 20 A, way-carries @ A }", "12.01", "11.99");
    block("carries"_attr, "rated-below-guard", "X5",
          "fuse-block X5 { 80 V, ways 2, feed common, carries @ A, way-carries 20 A }", "12.01", "11.99");
}

}  // namespace

std::vector<Limit> contact_limits() {
    std::vector<Limit> limits;
    of_contacts(limits);
    of_making(limits);
    of_coils(limits);
    of_connectors(limits);
    of_blocks(limits);
    return limits;
}

}  // namespace planted
