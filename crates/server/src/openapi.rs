//! The description of the HTTP interface, made from the table of questions.

use crate::Server;
use crate::answer::json;
use crate::name::Kind;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use desk::QUESTIONS;
use serde_json::Value;
use std::sync::Arc;
use utoipa::openapi::content::ContentBuilder;
use utoipa::openapi::path::{
    HttpMethod, Operation, OperationBuilder, Parameter, ParameterBuilder, ParameterIn, PathItem,
};
use utoipa::openapi::request_body::{RequestBody, RequestBodyBuilder};
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::security::{Http, HttpAuthScheme, SecurityScheme};
use utoipa::openapi::{
    ComponentsBuilder, InfoBuilder, OpenApi, OpenApiBuilder, PathsBuilder, Ref, Required, Response as Told,
    ResponseBuilder, SecurityRequirement,
};

const REFUSAL: &str = "Refusal";

pub(crate) async fn openapi(State(server): State<Arc<Server>>) -> Response {
    match description(server.doors.token().is_some()).to_json() {
        Ok(text) => json(StatusCode::OK, text),
        Err(error) => {
            (server.report)(&format!("the description of the interface cannot be written: {error}"));
            axum::response::IntoResponse::into_response(crate::ask::broken())
        }
    }
}

fn description(locked: bool) -> OpenApi {
    let mut paths = PathsBuilder::new();
    for question in QUESTIONS {
        let example = serde_json::from_str(question.example).unwrap_or(Value::Null);
        let operation = OperationBuilder::new()
            .operation_id(Some(question.name))
            .summary(Some(question.words))
            .request_body(Some(body("application/json", Some(example), "The request (docs/json.md).")))
            .response("200", told("The answer, JSON.", "application/json"))
            .response("404", refused("There is no such question."))
            .response("413", refused("The request is too big."))
            .response("415", refused("The request is not JSON."))
            .response("422", refused("Bad input, in words for a person, and the field to show it beside."))
            .response("503", refused("Too many questions at once; Retry-After says when to ask again."));
        paths = paths.path(format!("/api/ask/{}", question.name), PathItem::new(HttpMethod::Post, operation));
    }
    let list = OperationBuilder::new()
        .operation_id(Some("records"))
        .summary(Some("Every record: kind, name, bytes, changed (ISO 8601, UTC)"))
        .response("200", told("`{schema, records: [{kind, name, bytes, changed}]}`", "application/json"));
    paths = paths.path("/api/records", PathItem::new(HttpMethod::Get, list));
    let record = [(HttpMethod::Get, fetch()), (HttpMethod::Put, keep()), (HttpMethod::Delete, remove())]
        .into_iter()
        .fold(PathItem::default(), |item, (method, operation)| item_with(item, method, operation));
    paths = paths.path("/api/records/{kind}/{name}", record);
    let mut components = ComponentsBuilder::new().schema(REFUSAL, refusal());
    let mut api = OpenApiBuilder::new();
    if locked {
        let bearer = SecurityScheme::Http(Http::new(HttpAuthScheme::Bearer));
        components = components.security_scheme("token", bearer);
        api = api.security(Some([SecurityRequirement::new("token", Vec::<String>::new())]));
    }
    api.info(
        InfoBuilder::new()
            .title("Huewright")
            .version(env!("CARGO_PKG_VERSION"))
            .description(Some("Questions about coloured metal, and the records of a workshop."))
            .build(),
    )
    .paths(paths)
    .components(Some(components.build()))
    .build()
}

fn item_with(mut item: PathItem, method: HttpMethod, operation: Operation) -> PathItem {
    item.merge_operations(PathItem::new(method, operation));
    item
}

fn fetch() -> Operation {
    placed("fetch-record", "The text of a record, with its tag in ETag")
        .response("200", told("The text.", "application/toml"))
        .response("304", ResponseBuilder::new().description("It has the tag given in If-None-Match.").build())
        .response("404", refused("There is none of that name."))
        .build()
}

fn keep() -> Operation {
    placed("keep-record", "Keeps a record; workshop, finish and part are checked first")
        .parameter(condition("If-Match", "The tag that was fetched: replace only that."))
        .parameter(condition("If-None-Match", "`*`: only where there is none of that name."))
        .request_body(Some(body("application/toml", None, "The text of the file, UTF-8.")))
        .response("200", told("It was replaced; its tag is in ETag.", "application/json"))
        .response("201", told("It is new; its tag is in ETag.", "application/json"))
        .response("409", refused("One of nearly that name is there: capitals differ."))
        .response("412", refused("It is there already, or was changed meanwhile."))
        .response("413", refused("The text is too long."))
        .response("422", refused("The name or the text is refused; nothing was kept."))
        .response("507", refused("There are as many records as the folder may hold."))
        .build()
}

fn remove() -> Operation {
    placed("remove-record", "Moves a record into the folder of removed ones")
        .parameter(condition("If-Match", "The tag that was fetched: remove only that."))
        .response("200", told("`{removed}`: where it lies now, below the folder.", "application/json"))
        .response("404", refused("There is none of that name."))
        .response("412", refused("It was changed meanwhile."))
        .build()
}

fn placed(id: &str, summary: &str) -> OperationBuilder {
    let text = || ObjectBuilder::new().schema_type(Type::String);
    let part = |name: &str, words: &str, schema: ObjectBuilder| {
        ParameterBuilder::new()
            .name(name)
            .parameter_in(ParameterIn::Path)
            .required(Required::True)
            .description(Some(words))
            .schema(Some(schema.build()))
            .build()
    };
    OperationBuilder::new()
        .operation_id(Some(id))
        .summary(Some(summary))
        .parameter(part("kind", "Kind of the record.", text().enum_values(Some(Kind::ALL.map(Kind::word)))))
        .parameter(part("name", "1 to 80 letters, digits, space, comma, - _ . ' ( )", text().max_length(Some(80))))
}

fn condition(name: &str, words: &str) -> Parameter {
    ParameterBuilder::new()
        .name(name)
        .parameter_in(ParameterIn::Header)
        .description(Some(words))
        .schema(Some(ObjectBuilder::new().schema_type(Type::String).build()))
        .build()
}

fn body(media: &str, example: Option<Value>, words: &str) -> RequestBody {
    let content = ContentBuilder::new().example(example).build();
    RequestBodyBuilder::new().description(Some(words)).required(Some(Required::True)).content(media, content).build()
}

fn told(words: &str, media: &str) -> Told {
    ResponseBuilder::new().description(words).content(media, ContentBuilder::new().build()).build()
}

fn refused(words: &str) -> Told {
    let content = ContentBuilder::new().schema(Some(Ref::from_schema_name(REFUSAL))).build();
    ResponseBuilder::new().description(words).content("application/json", content).build()
}

fn refusal() -> utoipa::openapi::schema::Object {
    let text = || ObjectBuilder::new().schema_type(Type::String);
    ObjectBuilder::new()
        .property("error", text().description(Some("For a person.")))
        .property(
            "field",
            text().description(Some("Dotted path of the field; empty when it concerns the whole request.")),
        )
        .property("line", ObjectBuilder::new().description(Some("Line of a text that was handed over, or null.")))
        .required("error")
        .build()
}
