#include "checker/protection/main_leads.hpp"

#include <algorithm>
#include <utility>

namespace loomward {
namespace {

constexpr std::size_t most_touches = 8;
constexpr std::size_t most_leads = 16;  // at one pole; a bar has more, and is looked at as one

class MainLeads {
  public:
    MainLeads(const Circuit& circuit, const HomeNetwork& home, const std::vector<FlowBound>& chafed,
              const std::vector<ReturnPlace>& places, const std::vector<bool>& users_here)
        : circuit_(circuit), home_(home), chafed_(chafed), places_(places), users_here_(users_here) {}

    std::vector<MainLead> find() {
        for (std::uint32_t i = 0; i < home_.ties().size(); ++i) {
            const HomeNetwork::Tie& pack = tie(i);
            if (pack.kind != HomeNetwork::Tie::Kind::source ||
                circuit_.edge(pack.edge).role != EdgeRole::emf || !home_.is_piece(pack.flow.a))
                continue;
            std::vector<std::uint32_t> lead;
            const std::uint32_t end = follow_lead(pack.flow.a, ReturnPlace::none, lead);
            if (lead.empty()) {
                find_leads_to_bars(pack);
            } else if (!ends_at_a_load(end)) {
                for (const std::uint32_t zone : first_zones(pack.flow.b))
                    if (comes_home_over(pack.flow.a, lead.front(), zone)) touch(zone, end, lead);
            }
        }
        return std::move(found_);
    }

  private:
    void touch(std::uint32_t zone, std::uint32_t end, const std::vector<std::uint32_t>& lead) {
        found_.push_back({zone, end, lead});
    }
    // Where another lead begins at the minus, that of a charger: not for what has nothing but the charger
    // behind it.
    bool comes_home_over(std::uint32_t minus, std::uint32_t lead, std::uint32_t zone) const {
        const auto is_lead = [&](std::uint32_t id) {
            return tie(id).kind == HomeNetwork::Tie::Kind::conductor;
        };
        if (std::count_if(home_.at(minus).begin(), home_.at(minus).end(), is_lead) == 1) return true;
        const std::uint32_t next = other(lead, minus);
        const std::vector<std::uint32_t> fed =
            places_[next].by == lead ? places_[next].fed : fed_beyond(lead, next);
        return any_behind(zone, fed);
    }
    bool any_behind(std::uint32_t zone, const std::vector<std::uint32_t>& fed) const {
        const std::vector<std::uint32_t> behind = zones_behind(zone);
        return std::any_of(fed.begin(), fed.end(), [&](std::uint32_t each) {
            return std::binary_search(behind.begin(), behind.end(), each);
        });
    }
    // Several leads at a pack's minus: one that ends at a bar is the main lead of a first device all of whose
    // loads come home over that bar.
    void find_leads_to_bars(const HomeNetwork::Tie& pack) {
        const std::uint32_t minus = pack.flow.a;
        if (home_.at(minus).size() > most_leads) return;
        std::vector<std::vector<std::uint32_t>> leads, fed;
        std::vector<std::uint32_t> ends;
        for (const std::uint32_t id : home_.at(minus)) {
            if (tie(id).kind == HomeNetwork::Tie::Kind::load && tie(id).flow.a != minus &&
                !home_.is_piece(tie(id).flow.a)) {
                leads.emplace_back();
                fed.push_back({home_.zone(tie(id).flow.a)});
                ends.push_back(minus);
            }
            if (tie(id).kind != HomeNetwork::Tie::Kind::conductor) continue;
            const std::uint32_t next = other(id, minus);
            if (places_[next].by == id)
                fed.push_back(places_[next].fed);
            else if (places_[minus].by == id)
                fed.push_back(fed_beyond(id, next));
            else
                continue;
            leads.push_back({id});
            ends.push_back(home_.on_ring(tie(id).edge) || home_.is_bar(next)
                               ? next
                               : follow_lead(next, id, leads.back()));
        }
        for (const std::uint32_t zone : first_zones(pack.flow.b)) {
            const std::vector<std::uint32_t> behind = zones_behind(zone);
            std::uint32_t only = ReturnPlace::none, found = 0;
            for (std::uint32_t i = 0; i < leads.size(); ++i)
                if (std::any_of(fed[i].begin(), fed[i].end(), [&](std::uint32_t each) {
                        return std::binary_search(behind.begin(), behind.end(), each);
                    }))
                    only = i, ++found;
            if (found == 1 && !leads[only].empty() && home_.is_bar(ends[only]) &&
                !home_.on_ring(tie(leads[only].front()).edge))
                touch(zone, ends[only], leads[only]);
        }
    }
    // Zones whose loads come home to the pieces on that side of a conductor that lies towards the root.
    std::vector<std::uint32_t> fed_beyond(std::uint32_t conductor, std::uint32_t start) const {
        std::vector<std::uint32_t> fed, queue{start};
        std::vector<std::uint32_t> came{conductor};
        for (std::size_t head = 0; head < queue.size(); ++head) {
            const std::uint32_t here = queue[head];
            for (const std::uint32_t id : home_.at(here)) {
                if (id == came[head]) continue;
                const std::uint32_t next = other(id, here);
                if (tie(id).kind == HomeNetwork::Tie::Kind::load && tie(id).flow.b == here &&
                    !home_.is_piece(next))
                    fed.push_back(home_.zone(next));
                if (tie(id).kind != HomeNetwork::Tie::Kind::conductor) continue;
                if (places_[next].by == id)
                    fed.insert(fed.end(), places_[next].fed.begin(), places_[next].fed.end());
                else if (places_[here].by == id)
                    queue.push_back(next), came.push_back(id);
            }
        }
        return fed;
    }
    // All zones that a zone feeds over devices, and itself, in order.
    std::vector<std::uint32_t> zones_behind(std::uint32_t first) const {
        std::vector<std::uint32_t> zones, queue{first};
        std::vector<bool> seen(home_.vertex_count(), false);
        seen[first] = true;
        for (std::size_t head = 0; head < queue.size(); ++head) {
            zones.push_back(home_.zone(queue[head]));
            for (const std::uint32_t id : home_.at(queue[head])) {
                const std::uint32_t next = other(id, queue[head]);
                if (tie(id).kind != HomeNetwork::Tie::Kind::device || seen[next] || home_.is_piece(next))
                    continue;
                seen[next] = true;
                // Not back to the pack's plus.
                if (chafed_[home_.zone(next)].capacity != unbounded_A) queue.push_back(next);
            }
        }
        std::sort(zones.begin(), zones.end());
        return zones;
    }
    // No bar and no place where ways meet, but where one load alone begins: what feeds that load is all that
    // comes home from there.
    bool ends_at_a_load(std::uint32_t end) const {
        return !home_.is_bar(end) && std::count_if(home_.at(end).begin(), home_.at(end).end(), [&](auto id) {
                                         return tie(id).kind == HomeNetwork::Tie::Kind::conductor;
                                     }) == 1;
    }
    std::uint32_t follow_lead(std::uint32_t here, std::uint32_t came,
                              std::vector<std::uint32_t>& lead) const {
        const std::uint32_t all = places_[places_[here].root].users;
        for (;;) {
            if (users_here_[here] || (came != ReturnPlace::none && home_.is_bar(here))) return here;
            std::uint32_t only = ReturnPlace::none, ways = 0;
            for (const std::uint32_t id : home_.at(here)) {
                if (tie(id).kind != HomeNetwork::Tie::Kind::conductor || id == came) continue;
                if (home_.on_ring(tie(id).edge)) return here;
                const std::uint32_t next = other(id, here);
                const std::uint32_t beyond =
                    places_[next].by == id ? places_[next].users : all - places_[here].users;
                if (beyond > 0) only = id, ++ways;
            }
            if (ways != 1) return here;
            lead.push_back(only);
            came = only;
            here = other(only, here);
        }
    }
    std::vector<std::uint32_t> first_zones(std::uint32_t plus) const {
        std::vector<std::uint32_t> zones, queue{plus};
        std::vector<bool> seen(home_.vertex_count(), false);
        seen[plus] = true;
        for (std::size_t head = 0; head < queue.size(); ++head)
            for (const std::uint32_t id : home_.at(queue[head])) {
                const bool string = tie(id).kind == HomeNetwork::Tie::Kind::source &&
                                    tie(id).flow.a == queue[head] &&
                                    circuit_.edge(tie(id).edge).role == EdgeRole::emf;
                const std::uint32_t next = other(id, queue[head]);
                if ((tie(id).kind != HomeNetwork::Tie::Kind::device && !string) || seen[next]) continue;
                const FlowEdge& flow = tie(id).flow;
                if ((flow.a == queue[head] ? flow.capacity : flow.backwards()) <= 0) continue;  // one way
                seen[next] = true;
                // The plus of the next pack of a string is behind no device of the plus side yet.
                if (string || chafed_[home_.zone(next)].capacity == unbounded_A)
                    queue.push_back(next);
                else if (zones.size() < most_touches)
                    zones.push_back(next);
            }
        return zones;
    }

    const HomeNetwork::Tie& tie(std::uint32_t id) const { return home_.ties()[id]; }
    std::uint32_t other(std::uint32_t id, std::uint32_t vertex) const {
        return tie(id).flow.a == vertex ? tie(id).flow.b : tie(id).flow.a;
    }

    const Circuit& circuit_;
    const HomeNetwork& home_;
    const std::vector<FlowBound>& chafed_;
    const std::vector<ReturnPlace>& places_;
    const std::vector<bool>& users_here_;
    std::vector<MainLead> found_;
};

}  // namespace

std::vector<MainLead> main_leads(const Circuit& circuit, const HomeNetwork& home,
                                 const std::vector<FlowBound>& chafed, const std::vector<ReturnPlace>& places,
                                 const std::vector<bool>& users_here) {
    return MainLeads(circuit, home, chafed, places, users_here).find();
}

}  // namespace loomward
