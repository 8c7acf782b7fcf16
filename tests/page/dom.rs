//! A page as a browser's parser reads it: elements in the order of the file, and whatever the parser finds amiss.

use std::borrow::Cow;
use std::cell::RefCell;

use html5ever::interface::{ElemName, ElementFlags, NodeOrText, QuirksMode, TreeSink};
use html5ever::tendril::{StrTendril, TendrilSink};
use html5ever::{Attribute, LocalName, Namespace, ParseOpts, QualName, parse_document};

#[derive(Debug)]
enum Kind {
    Document,
    Element { name: QualName, attributes: Vec<(String, String)> },
    Text(String),
    Other,
}

#[derive(Debug)]
struct Node {
    kind: Kind,
    parent: Option<usize>,
    children: Vec<usize>,
}

/// A page, read.
#[derive(Debug)]
pub struct Page {
    nodes: Vec<Node>,
    /// What the parser found amiss.
    pub errors: Vec<String>,
}

/// An element of a page.
#[derive(Debug, Clone, Copy)]
pub struct Element<'a> {
    page: &'a Page,
    at: usize,
}

pub fn read(html: &str) -> Page {
    let sink = Sink::default();
    sink.node(Kind::Document);
    parse_document(sink, ParseOpts::default()).one(html)
}

impl Page {
    /// All elements in the order of the file.
    pub fn elements(&self) -> Vec<Element<'_>> {
        Element { page: self, at: 0 }.below()
    }

    /// All elements of a name.
    pub fn all(&self, name: &str) -> Vec<Element<'_>> {
        Element { page: self, at: 0 }.all(name)
    }

    /// The sheet whose heading has the id: customer, engineer, fitter.
    pub fn sheet(&self, id: &str) -> Element<'_> {
        let sheets = self.all("article");
        *sheets.iter().find(|s| s.attribute("aria-labelledby") == Some(id)).expect(id)
    }
}

impl<'a> Element<'a> {
    pub fn name(self) -> &'a str {
        match &self.page.nodes[self.at].kind {
            Kind::Element { name, .. } => &name.local,
            _ => "",
        }
    }

    pub fn attributes(self) -> &'a [(String, String)] {
        match &self.page.nodes[self.at].kind {
            Kind::Element { attributes, .. } => attributes,
            _ => &[],
        }
    }

    pub fn attribute(self, name: &str) -> Option<&'a str> {
        self.attributes().iter().find(|(n, _)| n == name).map(|(_, v)| v.as_str())
    }

    pub fn is_of(self, class: &str) -> bool {
        self.attribute("class").is_some_and(|c| c.split(' ').any(|c| c == class))
    }

    /// The elements below it, in the order of the file.
    pub fn below(self) -> Vec<Element<'a>> {
        let mut list = Vec::new();
        for &at in &self.page.nodes[self.at].children {
            let child = Element { page: self.page, at };
            if matches!(self.page.nodes[at].kind, Kind::Element { .. }) {
                list.push(child);
                list.extend(child.below());
            }
        }
        list
    }

    pub fn all(self, name: &str) -> Vec<Element<'a>> {
        self.below().into_iter().filter(|e| e.name() == name).collect()
    }

    /// The elements below it of a class.
    pub fn classed(self, class: &str) -> Vec<Element<'a>> {
        self.below().into_iter().filter(|e| e.is_of(class)).collect()
    }

    /// Its text as it is written.
    pub fn raw(self) -> String {
        let node = &self.page.nodes[self.at];
        match &node.kind {
            Kind::Text(text) => text.clone(),
            _ => node.children.iter().map(|&at| Element { page: self.page, at }.raw()).collect(),
        }
    }

    /// Its text with single spaces, as it is read.
    pub fn text(self) -> String {
        self.raw().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The cells of each row in the body of a table.
    pub fn rows(self) -> Vec<Vec<Element<'a>>> {
        let body = self.all("tbody");
        let rows = body.iter().flat_map(|b| b.all("tr"));
        rows.map(|r| r.below().into_iter().filter(|e| matches!(e.name(), "td" | "th")).collect()).collect()
    }
}

#[derive(Default)]
struct Sink {
    nodes: RefCell<Vec<Node>>,
    errors: RefCell<Vec<String>>,
}

/// A name, owned: the parser asks for one that outlives the borrow of the nodes.
#[derive(Debug)]
struct Name(QualName);

impl ElemName for Name {
    fn ns(&self) -> &Namespace {
        &self.0.ns
    }

    fn local_name(&self) -> &LocalName {
        &self.0.local
    }
}

impl Sink {
    fn node(&self, kind: Kind) -> usize {
        self.nodes.borrow_mut().push(Node { kind, parent: None, children: Vec::new() });
        self.nodes.borrow().len() - 1
    }

    fn put(&self, parent: usize, place: Option<usize>, child: NodeOrText<usize>) {
        let child = match child {
            NodeOrText::AppendNode(node) => node,
            NodeOrText::AppendText(text) => self.node(Kind::Text(text.to_string())),
        };
        let mut nodes = self.nodes.borrow_mut();
        nodes[child].parent = Some(parent);
        let place = place.unwrap_or(nodes[parent].children.len());
        nodes[parent].children.insert(place, child);
    }
}

impl TreeSink for Sink {
    type Handle = usize;
    type Output = Page;
    type ElemName<'a> = Name;

    fn finish(self) -> Page {
        Page { nodes: self.nodes.into_inner(), errors: self.errors.into_inner() }
    }

    fn parse_error(&self, message: Cow<'static, str>) {
        self.errors.borrow_mut().push(message.into_owned());
    }

    fn get_document(&self) -> usize {
        0
    }

    fn elem_name<'a>(&'a self, target: &'a usize) -> Name {
        match &self.nodes.borrow()[*target].kind {
            Kind::Element { name, .. } => Name(name.clone()),
            other => panic!("{other:?} is no element"),
        }
    }

    fn create_element(&self, name: QualName, attributes: Vec<Attribute>, _: ElementFlags) -> usize {
        let attributes =
            attributes.into_iter().map(|a| (a.name.local.to_string(), a.value.to_string())).collect();
        self.node(Kind::Element { name, attributes })
    }

    fn create_comment(&self, _: StrTendril) -> usize {
        self.node(Kind::Other)
    }

    fn create_pi(&self, _: StrTendril, _: StrTendril) -> usize {
        self.node(Kind::Other)
    }

    fn append(&self, parent: &usize, child: NodeOrText<usize>) {
        self.put(*parent, None, child);
    }

    fn append_based_on_parent_node(&self, element: &usize, before: &usize, child: NodeOrText<usize>) {
        let parent = self.nodes.borrow()[*element].parent;
        self.put(parent.unwrap_or(*before), None, child);
    }

    fn append_doctype_to_document(&self, _: StrTendril, _: StrTendril, _: StrTendril) {}

    fn get_template_contents(&self, target: &usize) -> usize {
        *target
    }

    fn same_node(&self, x: &usize, y: &usize) -> bool {
        x == y
    }

    fn set_quirks_mode(&self, mode: QuirksMode) {
        if mode != QuirksMode::NoQuirks {
            self.errors.borrow_mut().push(format!("{mode:?}"));
        }
    }

    fn append_before_sibling(&self, sibling: &usize, child: NodeOrText<usize>) {
        let parent = self.nodes.borrow()[*sibling].parent.unwrap();
        let place = self.nodes.borrow()[parent].children.iter().position(|c| c == sibling);
        self.put(parent, place, child);
    }

    fn add_attrs_if_missing(&self, _: &usize, _: Vec<Attribute>) {}

    fn remove_from_parent(&self, target: &usize) {
        let mut nodes = self.nodes.borrow_mut();
        if let Some(parent) = nodes[*target].parent.take() {
            nodes[parent].children.retain(|c| c != target);
        }
    }

    fn reparent_children(&self, node: &usize, parent: &usize) {
        let children = std::mem::take(&mut self.nodes.borrow_mut()[*node].children);
        for child in children {
            self.put(*parent, None, NodeOrText::AppendNode(child));
        }
    }
}

#[test]
fn analytic_the_reader_finds_what_is_amiss() {
    let good =
        "<!DOCTYPE html><html lang=en><title>a</title><p>b &amp; c</p><svg><title>d</title></svg></html>";
    assert_eq!(read(good).errors, Vec::<String>::new());
    assert_eq!(read(good).all("p")[0].text(), "b & c");
    for bad in [
        "<p>no doctype</p>",
        "<!DOCTYPE html><title>a</title><p></b></p>",
        "<!DOCTYPE html><title>a</title><table><p>x</p></table>",
        "<!DOCTYPE html><title>a</title><p id=a id=b>x</p>",
        "<!DOCTYPE html><title>a</title><div><p></div></div>",
        "<!DOCTYPE html><title>a</title><p>&nosuch; &#0;</p>",
        "<!DOCTYPE html><title>a</title><dl><div><dt>x</dt></dl>",
    ] {
        assert!(!read(bad).errors.is_empty(), "{bad}");
    }
}
