package linnet.plan;

import java.util.List;

/**
 * Everything that will happen to a take, every path aligned to the sample.
 *
 * @param rate samples per second
 * @param nodes in an order in which each comes after its feeds; the first is the take, the last is the print
 */
public record Plan(double rate, List<Node> nodes) {
    public Plan {
        nodes = List.copyOf(nodes);
    }

    public Node output() {
        return nodes.get(nodes.size() - 1);
    }

    /** The steps, in order: what a user counts from 1. The take, the sums and the turns are not among them. */
    public List<Node> steps() {
        return nodes.stream().filter(n -> n.work().isPresent()).toList();
    }

    /** The plan as far as a node, as if the chain ended there. */
    public Plan upTo(Node node) {
        return new Plan(rate, nodes.subList(0, node.id() + 1));
    }

    /** How many times the take is passed through, at least. */
    public int stages() {
        return output().stage() + 1;
    }
}
